//! Tests of chart.
