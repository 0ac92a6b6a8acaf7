//! The language server: messages to the pure functions of `editor` and back. Only this module knows the protocol.
