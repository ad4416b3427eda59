"""The few questions that stop a person: unsaved work, a changed file, lost work, about, a crash."""
