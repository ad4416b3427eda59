"""The sections of the job panel, one topic a file."""
