"""Parts of a farm, each from the tables of a book: the modules that know both."""
