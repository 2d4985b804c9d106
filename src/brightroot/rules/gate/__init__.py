"""What is on the bench: is it the metal, the rod and the tools of this joint, and are the surfaces still ready?"""
