package linnet.demo;

/** The example's song: a harbour at night, eight soft bars and eight loud ones. */
public final class Song {
    private static final String LEAD = """
            phrase 2:1 verse 0.32 Salt on the stones, the boats come in
              A3 1     s-aw-l-t
              D4 1/2   aw-n
              D4 1/2   dh-uh
              F#4 3/2  s-t-o>uu-n-z   scoop
              E4 1/2   dh-uh
              E4 1     b-o>uu-t-s
              D4 1/2   k-uh-m
              D4 5/4   ih-n           -14c
            phrase 4:1 verse 0.36 Paper lanterns along the pier
              D4 1/2   p-e>ih
              E4 1/2   p-er
              F#4 1    l-ae-n         scoop
              E4 1     t-er-n-z
              D4 1/2   uh
              B3 1     l-aw-ng        +18c
              A3 1/2   dh-uh
              B3 3/2   p-i>ih-r
            phrase 6:1 verse 0.34 Somebody's singing, soft and thin
              A3 1/2   s-uh-m
              D4 1     b-a
              D4 1/2   d-i-z
              F#4 3/2  s-ih-ng        scoop
              E4 1/2   ih-ng          -22c
              E4 1     s-aw-f-t
              D4 1/2   ae-n-d
              B3 5/4   th-ih-n
            phrase 8:1 verse 0.42 the only song that I can hear
              A3 1/2   dh-i
              B3 1     o>uu-n         scoop
              D4 1/2   l-i
              E4 3/2   s-aw-ng
              E4 1/2   dh-ae-t
              F#4 1/2  a>ih           +12c
              E4 1/2   k-ae-n
              E4 3/2   h-i>ih-r
            phrase 10:1 chorus 0.86 Shine, shine, over the bay
              A4 3/2   sh-a>ih-n      scoop
              B4 3/2   sh-a>ih-n      -18c
              A4 1/2   o>uu
              F#4 1/2  v-er
              E4 1/2   dh-uh
              A4 2     b-e>ih
            phrase 12:1 chorus 0.88 Pull me back when I drift away
              F#4 1/2  p-uu-l
              A4 1/2   m-i
              B4 1     b-ae-k
              A4 1/2   w-eh-n
              B4 1/2   a>ih           +16c
              D5 3/2   d-r-ih-f-t     scoop
              B4 1/2   uh
              A4 1     w-e>ih
              F#4 1/2  ~
            phrase 14:1 chorus 0.88 Seven lanterns, burning slow
              A4 1/2   s-eh
              A4 1/2   v-eh-n
              B4 1     l-ae-n
              A4 1/2   t-er-n-z
              D5 3/2   b-er           scoop
              B4 1/2   n-ih-ng        -25c
              A4 2     s-l-o>uu
            phrase 16:1 chorus 0.84 keep them bright till I come home
              F#4 1/2  k-i-p
              F#4 1/2  dh-eh-m
              A4 3/2   b-r-a>ih-t     scoop
              G4 1/2   t-ih-l
              F#4 1/2  a>ih
              E4 1     k-uh-m         +10c
              D4 9/4   h-o>uu-m
            """;

    private Song() {}

    /** A bar of count-in, then verse and chorus: 100 beats a minute, D major, A3 to D5. */
    public static Score lead() {
        return new Score("Seven Lanterns", 100, 4, "D major", 18, Score.phrases(LEAD, 4));
    }
}
