"""What ships as data: tubes, fittings, parts, practice sets; every row carries its source."""
