//! Control law of a seed meter drive.
#![no_std]
