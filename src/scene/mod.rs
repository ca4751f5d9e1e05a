//! What is drawn, in millimetres.
