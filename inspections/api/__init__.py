"""What tablets and the server say to each other, as JSON."""

#: What every address of the API begins with.
PREFIX = "/tablet/api"
