"""The values of a job and of its result: frozen, in SI, without any I/O."""
