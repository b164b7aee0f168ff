package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import linnet.dsp.Samples;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Where parts and groups lie between left and right. */
class PlacesTest {
    @TempDir
    Path folder;

    private SongRig rig() {
        return new SongRig(folder);
    }

    /** Constant power, 3.01 dB down in the centre: the law that is stated, for what has one channel, whatever its chain makes of it, and for what has two. */
    @Test
    void thePanLawIsTheOneStated() throws Exception {
        Samples mono = SongRig.noise(20, 1, 0.3), stereo = new Samples(SongRig.RATE, mono.data()[0], mono.data()[0]);
        double whole = SongRig.db(mono.data()[0], 0, 1);
        for (int percent : new int[] {-100, -60, 0, 25, 100}) {
            double t = (percent / 100.0 + 1) * Math.PI / 4;
            String part = "parts: { one: { take: a.wav, pan: " + percent + " %% } }\nprints: [ one ]\n";
            double[][] x = rig().render(part.formatted(), 1, mono).get("one"), y = rig().render(part.formatted(), 1, stereo).get("one");
            double[][] z = rig().render(part.replace("a.wav", "a.wav, chain: [ reverb: { mix: 0 %% } ]").formatted(), 1, mono).get("one");
            double[] law = {20 * Math.log10(Math.cos(t)), 20 * Math.log10(Math.sin(t))};
            for (int c = 0; c < 2; c++) {
                if (law[c] < -120) {
                    assertTrue(SongRig.db(x[c], 0, 1) < -120 && SongRig.db(y[c], 0, 1) < -120 && SongRig.db(z[c], 0, 1) < -120);
                    continue;
                }
                assertEquals(whole + law[c], SongRig.db(x[c], 0, 1), 0.05);
                assertEquals(whole + law[c], SongRig.db(z[c], 0, 1), 0.05);
                assertEquals(whole + Math.min(0, law[c] + 3.01), SongRig.db(y[c], 0, 1), 0.05);
            }
        }
    }

    /** A part made of another is put in its place as that is: by what the take was recorded in, not by what a chain makes of it. */
    @Test
    void aPartOfAPartLiesAsThatDoes() throws Exception {
        String song = """
                parts: { lead: { take: a.wav, pan: %1$s, chain: [ reverb: { mix: 5 %% } ] }, copy: { from: lead, pan: %1$s, polarity: flipped }, copy of that: { from: copy, pan: %1$s, edits: [ { mute: chorus } ] } }
                prints: [ lead, copy, copy of that ]
                """;
        Samples mono = SongRig.noise(23, 2, 0.3), stereo = new Samples(SongRig.RATE, mono.data()[0], SongRig.noise(24, 2, 0.3).data()[0]);
        for (String pan : List.of("centre", "30 % left")) {
            for (Samples take : List.of(mono, stereo)) {
                Map<String, double[][]> prints = rig().render(song.formatted(pan), 1, take);
                assertTrue(SongRig.residue(Map.of("lead", prints.get("lead"), "copy", prints.get("copy"), "none", new double[2][prints.get("lead")[0].length]),
                        "none", List.of("lead", "copy")) < -150, pan);
                for (int c = 0; c < 2; c++) {
                    assertEquals(SongRig.db(prints.get("lead")[c], 0.2, 1.8), SongRig.db(prints.get("copy of that")[c], 0.2, 1.8), 0.001, pan);
                }
            }
        }
    }

    /** What a group or a return gets does not depend on whether anything in it is off the centre: its threshold stays where it was. */
    @Test
    void aLevelDoesNotJumpWhenAMemberLeavesTheCentre() throws Exception {
        String song = """
                parts:
                  one: { take: a.wav, sends: { room: -6 dB } }
                  two: { take: b.wav, pan: %s, sends: { room: -6 dB } }
                groups: { both: { parts: [ one, two ], chain: [ compressor: { threshold: -20 dB, ratio: 8:1 } ], pan: 20 %% left, sends: { room: -6 dB } } }
                returns: { room: { chain: [ saturate: { drive: 12 dB } ] } }
                prints: [ both, room, mix ]
                """;
        Samples[] takes = {SongRig.noise(21, 2, 0.4), SongRig.noise(22, 2, 0.4)};
        Map<String, double[][]> centre = rig().render(song.formatted("centre"), 1, takes), hair = rig().render(song.formatted("0.01 % right"), 1, takes);
        for (String print : List.of("both", "room", "mix")) {
            for (int c = 0; c < 2; c++) assertEquals(SongRig.db(centre.get(print)[c], 0.2, 1.8), SongRig.db(hair.get(print)[c], 0.2, 1.8), 0.02, print);
        }
    }

    /** Pairs in the order of the group, the first the widest; an odd one in the centre; who has a place keeps it. */
    @Test
    void aSpreadDealsTheLayersToBothSides() throws Exception {
        String song = """
                parts: { a: { take: a.wav }, b: { take: b.wav }, c: { take: c.wav }, d: { take: d.wav }, e: { take: e.wav }, f: { take: f.wav, pan: 10 % left } }
                groups: { stack: { parts: [ f, a, b, c, d, e ], spread: 80 % } }
                prints: [ a, b, c, d, e, f, stack ]
                """;
        Samples[] takes = new Samples[6];
        for (int i = 0; i < 6; i++) takes[i] = SongRig.noise(30 + i, 1, i == 5 ? 0 : 0.3);
        SongRig rig = rig();
        Map<String, double[][]> prints = rig.render(song, 1, takes);
        assertTrue(rig.levels.toString().matches("\\[Found\\[kind=SIDES, what=stack, .*, value=0(\\.[1-5])? dB, why=of energy between left and right\\]\\]"),
                rig.levels.toString());
        rig.render(song.replace("take: a.wav }", "take: a.wav, level: 3 dB }"), 1, takes);
        assertTrue(rig.levels.get(0).why().equals("more energy on the left: lower a layer there, or raise one on the other side"), rig.levels.toString());
        Map<String, Double> places = Map.of("a", -80.0, "b", 80.0, "c", 40.0, "d", -40.0, "e", 0.0);
        places.forEach((name, place) -> {
            double[][] x = prints.get(name);
            double t = Math.atan2(Math.sqrt(Math.pow(10, SongRig.db(x[1], 0, 1) / 10)), Math.sqrt(Math.pow(10, SongRig.db(x[0], 0, 1) / 10)));
            assertEquals(place, (t * 4 / Math.PI - 1) * 100, 0.1, name);
        });
        assertEquals(SongRig.db(prints.get("stack")[0], 0, 1), SongRig.db(prints.get("stack")[1], 0, 1), 0.5);
    }

    /**
     * A section in which some layers sing alone may lean though all of it does not: in the verse the pair of the doubles, one of them 2 dB softer, in the
     * chorus another pair that is as much louder on the other side. A tail alone is no section in which it sounds.
     */
    @Test
    void theSectionThatLeansMostIsNamed() throws Exception {
        String song = """
                parts: { a: { take: a.wav }, b: { take: b.wav, level: -2 dB }, c: { take: c.wav, at: chorus }, d: { take: d.wav, at: chorus, level: -2 dB } }
                groups: { stack: { parts: [ a, b, c, d ], spread: 80 % } }
                prints: [ stack ]
                """;
        Samples[] takes = new Samples[4];
        for (int i = 0; i < 4; i++) takes[i] = SongRig.noise(40 + i, 2, 0.2);
        SongRig rig = rig();
        rig.render(song, 1, takes);
        // One of the pair has 2 dB less; that both are heard 80 % and 40 % out leaves 1.8 and 1.2 dB of it.
        assertTrue(rig.levels.get(0).toString().matches("Found\\[kind=SIDES, what=stack, .*, value=0(\\.[1-5])? dB, why=of energy between left and "
                + "right, but in verse 1\\.[6-9] dB more energy on the left: lower a layer there, or raise one on the other side\\]"), rig.levels.toString());
        // The verse is level, and 6 dB less on the left of the chorus are 1.2 dB of all of it.
        rig.render(song.replace("level: -2 dB }, c", "level: 0 dB }, c").replace("level: -2 dB", "level: -6 dB"), 1, takes);
        String said = rig.levels.get(0).toString();
        assertTrue(said.matches("Found\\[kind=SIDES, what=stack, .*, value=1(\\.[0-4])? dB, why=more energy on the right, and in chorus "
                + "3(\\.[0-5])? dB more energy on the right: lower a layer there, or raise one on the other side\\]"), said);
        rig.render(song.replace(", level: -2 dB", ""), 1, takes);
        assertTrue(rig.levels.get(0).toString().endsWith("why=of energy between left and right]"), rig.levels.toString());
    }

    /** What rings on behind a section is none that leans. */
    @Test
    void aTailIsNoSection() throws Exception {
        Samples[] takes = {SongRig.noise(50, 2, 0.2), SongRig.noise(51, 2, 0.2), SongRig.noise(52, 1, 0.01)};
        SongRig rig = rig();
        rig.render("parts: { a: { take: a.wav }, b: { take: b.wav }, c: { take: c.wav, at: chorus, pan: 60 % left } }\n"
                + "groups: { stack: { parts: [ a, b, c ], spread: 80 % } }\nprints: [ stack ]\n", 1, takes);
        assertTrue(rig.levels.get(0).toString().endsWith("why=of energy between left and right]"), rig.levels.toString());
    }

    /** Nor is one that is silent up to its end, however what comes after it begins. */
    @Test
    void aSilentSectionHasNothingOfTheNext() throws Exception {
        Samples left = SongRig.noise(53, 2, 0.2), right = SongRig.noise(54, 2, 0.2);
        for (int i = 0; i < right.data()[0].length; i++) right.data()[0][i] *= i < 0.2 * SongRig.RATE ? 0.4 : 1.05;
        SongRig rig = rig();
        rig.render("parts: { a: { take: a.wav, at: chorus }, b: { take: b.wav, at: chorus } }\ngroups: { stack: { parts: [ a, b ], spread: 80 % } }\n"
                + "prints: [ stack ]\n", 1, left, right);
        assertTrue(rig.levels.get(0).toString().endsWith("why=of energy between left and right]"), rig.levels.toString());
    }

    /** Where all of it leans, what is told of the whole would be wrong for the section that leans the other way. */
    @Test
    void theSectionThatLeansTheOtherWayIsNamed() throws Exception {
        Samples[] takes = new Samples[4];
        for (int i = 0; i < 4; i++) takes[i] = SongRig.noise(60 + i, 2, 0.2);
        SongRig rig = rig();
        rig.render("parts: { a: { take: a.wav }, b: { take: b.wav, level: -4 dB }, c: { take: c.wav, at: chorus, level: -14 dB }, "
                + "d: { take: d.wav, at: chorus, level: -17 dB } }\ngroups: { stack: { parts: [ a, b, c, d ], spread: 80 % } }\nprints: [ stack ]\n", 1, takes);
        assertTrue(rig.levels.get(0).toString().matches(".*why=more energy on the left, and in chorus 1\\.[5-9] dB more energy on the right: .*"),
                rig.levels.toString());
    }

    /** A place moves as a level does: in its stretch, over its ramp, at constant power all the way. */
    @Test
    void aPlaceMoves() throws Exception {
        Samples take = new Samples(SongRig.RATE, new double[4 * (int) SongRig.RATE]);
        java.util.Arrays.fill(take.data()[0], 0.5);
        double[][] x = rig().render("parts: { one: { take: a.wav, pan: 20 % left } }\nmoves: { chorus: { ramp: 2 beats, one pan: +60 % } }\nprints: [ one ]\n",
                1, take).get("one");
        for (int i = 0; i < 4 * SongRig.RATE; i++) {
            double t = (0.8 + 0.6 * Math.max(0, Math.min(1, (i / SongRig.RATE - 1.5) / 0.5))) * Math.PI / 4;
            assertEquals(0.5 * Math.cos(t), x[0][i], 1e-4, "at " + i);
            assertEquals(0.5 * Math.sin(t), x[1][i], 1e-4, "at " + i);
        }
    }
}
