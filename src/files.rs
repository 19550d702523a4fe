//! Reading and atomic writing; together with the command line the only
//! code that touches the outside world.
