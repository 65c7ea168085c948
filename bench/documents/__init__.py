"""What a closing certificate costs: time beside bare WeasyPrint, bytes, and a worker's memory."""
