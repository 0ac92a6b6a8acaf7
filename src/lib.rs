//! Gudgeon.
