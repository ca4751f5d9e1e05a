//! Tests of kmedian.
