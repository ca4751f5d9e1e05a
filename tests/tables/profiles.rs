//! Tests of profiles.
