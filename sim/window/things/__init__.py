"""The things in the room, one file each: everything drawn can be worked by hand, and each knows its own way of being worked."""
