"""Pure computation for planning and proving a solid-fuel installation. SI inside, no Django."""
