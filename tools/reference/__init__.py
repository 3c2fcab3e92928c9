"""The reference pages, each written by one module from the code it describes."""
