"""The folder on disk, and the pipeline that runs the stages over it."""
