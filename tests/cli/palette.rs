//! Tests of palette.
