"""How the property tests of the calculations run."""

from hypothesis import settings

# A time limit for each example would fail a right answer on a busy machine.
settings.register_profile("calcs", deadline=None)
settings.load_profile("calcs")
