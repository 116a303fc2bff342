//! Every honest way to get a reading of the light: no clock, no browser, no camera; bytes and figures arrive as values.
