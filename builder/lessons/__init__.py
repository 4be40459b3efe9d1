FOLDER = "lessons"   # of the site's source, and of the site
