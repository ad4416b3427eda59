"""Fields that show one stored value of the job and commit what a person enters, as one undo step each."""
