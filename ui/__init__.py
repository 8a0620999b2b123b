"""The screens: they show what the services answer and work nothing out themselves."""
