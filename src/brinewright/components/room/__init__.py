"""Room: a space that is kept between two temperatures."""
