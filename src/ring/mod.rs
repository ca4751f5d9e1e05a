//! Ring sizes and the rows that close round a finger.
