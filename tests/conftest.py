"""What every test shares."""

from hypothesis import settings

# No deadline: the first call of a law may compile it.  No randomness: a failure comes back.
settings.register_profile("house", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("house")
