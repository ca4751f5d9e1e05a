//! Scene and results as bytes and as text for people.
