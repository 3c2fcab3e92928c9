"""Read, migrate and write the files of a person: loops and rulebooks."""
