"""The files that users own: read in words, locked, and written whole or not at all."""
