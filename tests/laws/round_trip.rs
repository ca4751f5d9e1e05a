//! Tests of round_trip.
