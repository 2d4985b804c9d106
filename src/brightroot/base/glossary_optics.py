"""Names of optics and colour: stem | units it is used with | meaning | a standard's term, from memory."""

OPTICS = """
blue | - | blue of a screen's colour, 0 to 255
films | - | oxides whose optical constants are kept
green | - | green of a screen's colour, 0 to 255
high | nm | thick end of a stretch of colours
k | 1 | loss in a material: imaginary part of its refractive index
length_label | - | what the length of a bar stands for
lightness | 1 | lightness of a colour, 0 black to 100 white | lightness L* (CIE 015)
lights | - | lights whose spectra are kept
low | nm | thin end of a stretch of colours
n | 1 | how a material slows light: real part of its refractive index
observers | - | standard eyes whose tables are kept
optics | - | tables that colour is computed from
power | 1 | relative power of a light at each wavelength
red | - | red of a screen's colour, 0 to 255
sample | - | the sample that was measured
shades | - | the colour of each nanometre of film
stretches | - | named stretches of the sequence of film colours
substrates | - | metals whose optical constants are kept
told | - | the words beside a thing
unit_label | - | the unit beside an axis
wavelength | nm | wavelength of light
x | 1 | red-sensitive matching function of the standard observer
y | 1 | matching function of the standard observer that tells luminance
z | 1 | blue-sensitive matching function of the standard observer
"""
