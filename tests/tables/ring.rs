//! Tests of ring.
