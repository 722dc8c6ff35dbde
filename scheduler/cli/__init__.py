"""The command line: options in, one call, messages out."""
