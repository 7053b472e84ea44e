"""One file per scene: where the pots stand, where the light comes from, which places a printer would meter."""
