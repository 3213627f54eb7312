"""Students: their hands, what they have played and how it went, what is due, and a lesson made theirs."""
