"""What the tablet's part of the server costs, on whatever database the environment names."""
