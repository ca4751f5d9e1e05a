//! Tests of manual.
