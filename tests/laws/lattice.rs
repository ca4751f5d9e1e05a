//! Tests of lattice.
