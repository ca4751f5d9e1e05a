//! Tests of sampling.
