//! Tests of fit.
