//! Tests of schema.
