//! Tests of nearest.
