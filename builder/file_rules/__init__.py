"""Rules across fields and files. Each rule adds problems with the place that they belong to. What
needs the rules of one kind imports its module: a meter's limits need no plans."""
