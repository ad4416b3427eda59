"""What a person can do to a job, one file a topic; every command is a frozen value with ``label`` and ``apply``."""
