"""Colours of the drawings. Every meaning also has a shape or a word: they print in black and white."""

INK = "#1f2a33"
SOFT = "#55636e"
LINE = "#8794a0"
FAINT = "#cdd5db"
PAPER = "#ffffff"
STEEL = "#e4e9ed"
IRON = "#4a5560"
WOOD = "#efdfc2"
WOOD_LINE = "#7d6236"
ATTIC = "#f7f5f1"
BATT = "#b98f5f"
REQUIRED = "#0a6259"
WARNING = "#8f2417"
GLOW = "#f2c48d"

TITLE = 17.0
LABEL = 13.0
DETAIL = 12.0
NOTE = 11.5
