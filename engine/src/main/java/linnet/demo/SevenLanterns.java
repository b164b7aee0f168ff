package linnet.demo;

import java.util.ArrayList;
import java.util.List;

/** The example's song: a harbour at night, eight soft bars and eight loud ones, twice. */
public final class SevenLanterns {
    private static final int BEATS_PER_BAR = 4;
    /** A count-in, the lines of {@link #FIRST}, and a bar to ring out. */
    private static final int HALF = 18;
    private static final int WHOLE = 34;

    private static final String FIRST = """
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

    /** The second time round: other words, and a chorus that goes higher. */
    private static final String SECOND = """
            phrase 18:1 verse 0.34 Rope on the rail, the wind falls low
              A3 1     r-o>uu-p
              D4 1/2   aw-n
              D4 1/2   dh-uh
              F#4 3/2  r-e>ih-l       scoop
              E4 1/2   dh-uh
              E4 1     w-ih-n-d       -12c
              D4 1/2   f-aw-l-z
              D4 5/4   l-o>uu
            phrase 20:1 verse 0.38 Candles of paper, row by row
              D4 1/2   k-ae-n
              E4 1/2   d-uh-l-z
              F#4 1    uh-v
              E4 1     p-e>ih         scoop
              D4 1/2   p-er
              B3 1     r-o>uu         +15c
              A3 1/2   b-a>ih
              B3 3/2   r-o>uu
            phrase 22:1 verse 0.36 Nobody's waiting, lights are few
              A3 1/2   n-o>uu
              D4 1     b-uh
              D4 1/2   d-i-z
              F#4 3/2  w-e>ih         scoop
              E4 1/2   t-ih-ng        -20c
              E4 1     l-a>ih-t-s
              D4 1/2   er
              B3 5/4   f-y-u
            phrase 24:1 verse 0.44 but one is burning, and it's you
              A3 1/2   b-uh-t
              B3 1     w-uh-n         scoop
              D4 1/2   ih-z
              E4 3/2   b-er           +11c
              E4 1/2   n-ih-ng
              F#4 1/2  ae-n-d
              E4 1/2   ih-t-s
              E4 3/2   y-u
            phrase 26:1 chorus 0.88 Shine, shine, over the bay
              A4 3/2   sh-a>ih-n      scoop
              D5 3/2   sh-a>ih-n      -14c
              B4 1/2   o>uu
              A4 1/2   v-er
              F#4 1/2  dh-uh
              A4 2     b-e>ih
            phrase 28:1 chorus 0.90 Pull me back when I drift away
              F#4 1/2  p-uu-l
              A4 1/2   m-i
              B4 1     b-ae-k
              D5 1/2   w-eh-n
              B4 1/2   a>ih
              D5 3/2   d-r-ih-f-t     scoop
              B4 1/2   uh
              D5 1     w-e>ih         -16c
              B4 1/2   ~
            phrase 30:1 chorus 0.90 Seven lanterns, burning slow
              A4 1/2   s-eh
              A4 1/2   v-eh-n
              B4 1     l-ae-n
              A4 1/2   t-er-n-z       +12c
              D5 3/2   b-er           scoop
              D5 1/2   n-ih-ng
              C#5 2    s-l-o>uu       -10c
            phrase 32:1 chorus 0.84 keep them bright till I come home
              F#4 1/2  k-i-p
              F#4 1/2  dh-eh-m
              A4 3/2   b-r-a>ih-t     scoop
              G4 1/2   t-ih-l
              F#4 1/2  a>ih
              E4 1     k-uh-m
              D4 11/4  h-o>uu-m
            """;

    /** A third or a fourth above the lead, as the chords allow: one line for each of the choruses, one pitch for each note. */
    private static final String HIGH = """
            D5 D5 D5 A4 A4 C#5
            B4 D5 D5 D5 D5 F#5 D5 D5 B4
            D5 D5 D5 D5 F#5 D5 C#5
            B4 B4 D5 B4 A4 G4 F#4
            D5 F#5 D5 D5 A4 C#5
            B4 D5 D5 F#5 D5 F#5 D5 F#5 D5
            D5 D5 D5 D5 F#5 F#5 E5
            B4 B4 D5 B4 A4 G4 F#4
            """;
    /** A third or a fourth below; a sixth below the high harmony. */
    private static final String LOW = """
            F#4 G4 F#4 D4 C#4 E4
            D4 F#4 F#4 F#4 F#4 B4 G4 F#4 D4
            F#4 F#4 G4 F#4 A4 G4 E4
            D4 D4 F#4 E4 D4 C#4 A3
            F#4 A4 G4 F#4 D4 E4
            D4 F#4 F#4 B4 F#4 B4 G4 B4 G4
            F#4 F#4 G4 F#4 A4 A4 A4
            D4 D4 F#4 E4 D4 C#4 A3
            """;

    /** Around the lead of the last chorus, not on it; its bar 1 is that chorus's. */
    private static final String AD_LIB = """
            phrase 2:3.5 chorus 0.62 oh, shine
              E5 1/2   o>uu           scoop
              C#5 3/4  sh-a>ih-n
            phrase 4:3.5 chorus 0.60 away
              B4 1/2   uh
              D5 1/2   w-e>ih
              B4 1/4   ~
            phrase 6:3.5 chorus 0.64 so slow
              E5 1/2   s-o>uu
              C#5 3/4  s-l-o>uu       +14c
            phrase 9:1 chorus 0.46 bring me home
              F#4 1/2  b-r-ih-ng
              G4 1/2   m-i            scoop
              F#4 7/4  h-o>uu-m
            """;

    private SevenLanterns() {}

    /** A bar of count-in, then verse and chorus: 100 beats a minute, D major, A3 to D5. */
    public static Score lead() {
        return score(HALF, phrases(FIRST));
    }

    /** Both verses and both choruses, of 34 bars; the sections are called "verse 1" and so on. */
    public static Score whole() {
        List<Score.Phrase> all = new ArrayList<>();
        for (Score.Phrase p : phrases(FIRST)) all.add(p.section(p.section() + " 1"));
        for (Score.Phrase p : phrases(SECOND)) all.add(p.section(p.section() + " 2"));
        return score(WHOLE, all);
    }

    /** The second verse once more; bar 1 is the bar before it. */
    static Score verseAgain() {
        return score(10, whole().phrases().stream().filter(p -> p.section().equals("verse 2")).map(p -> p.earlier(16 * BEATS_PER_BAR)).toList());
    }

    /** What a double sings: all but the first verse. */
    static Score doubled() {
        return score(WHOLE, whole().phrases().stream().filter(p -> !p.section().equals("verse 1")).toList());
    }

    static Score high() {
        return harmony(HIGH);
    }

    static Score low() {
        return harmony(LOW);
    }

    /** From the last chorus on. */
    static Score adLib() {
        return score(9, phrases(AD_LIB));
    }

    /** Other pitches to the words of the choruses. */
    private static Score harmony(String pitches) {
        List<Score.Phrase> choruses = whole().phrases().stream().filter(p -> p.section().startsWith("chorus")).toList();
        List<String> lines = pitches.lines().toList();
        List<Score.Phrase> sung = new ArrayList<>();
        for (int i = 0; i < choruses.size(); i++) sung.add(choruses.get(i).pitches(List.of(lines.get(i).split(" "))));
        return score(WHOLE, sung);
    }

    private static List<Score.Phrase> phrases(String text) {
        return Score.phrases(text, BEATS_PER_BAR);
    }

    private static Score score(int bars, List<Score.Phrase> phrases) {
        return new Score("Seven Lanterns", 100, BEATS_PER_BAR, "D major", bars, phrases);
    }
}
