//! Tests of show.
