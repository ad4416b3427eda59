"""The job file: reading, checking, migrating and saving it, and its JSON Schema."""
