"""The local pages of `serve`: what the commands do, for people who use no terminal. They are doors
to the same functions. The site itself stays static and has none of them."""
