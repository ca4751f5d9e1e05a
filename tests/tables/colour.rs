//! Tests of colour.
