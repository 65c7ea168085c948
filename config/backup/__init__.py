"""Takes everything a shop would miss into one archive, and puts it back.

The archive is a plain tar: `database.sqlite3` or `database.dump`, the secret, the list of erasures, the files
under `media/`, and last a `manifest.json` with the checksum of each. Without it an archive is not whole.
"""
