//! One integration binary; a module for each thing under test.
