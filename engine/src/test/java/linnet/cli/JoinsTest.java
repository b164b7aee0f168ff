package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.List;
import linnet.hear.Joint;
import linnet.render.SongFindings;
import org.junit.jupiter.api.Test;

class JoinsTest {
    private static Joins joins(boolean cut) {
        Joint joint = new Joint(48_000, 48_480, 576, Joint.Lies.CONSONANT, 0, 0, 0, 0, 0, Joint.Breaths.KEPT, cut, true);
        return new Joins(List.of(new SongFindings.PartJoint("lead", "8.2 s", joint)), List.of(), 48_000);
    }

    private static String said(boolean cut) {
        StringWriter text = new StringWriter();
        joins(cut).say(new PrintWriter(text));
        return text.toString().strip();
    }

    @Test
    void tellsOfAConsonantThatIsCutInTwo() {
        String line = "Joins:\n  lead             8.2 s: 10 ms later, in a consonant, fade 12 ms, level +0.0 dB, tone +0.0 dB";
        assertEquals(line, said(false).replace("\r\n", "\n"));
        assertEquals(line + "; a consonant is cut in two", said(true).replace("\r\n", "\n"));
        for (boolean cut : new boolean[] {false, true}) assertEquals(cut, joins(cut).json().get(0).getAsJsonObject().get("consonant_cut").getAsBoolean());
    }

    /** Where the two cancel inside the fade, the level before and after says nothing of the step. */
    @Test
    void aStepInsideAFadeIsToldWithItsFigure() {
        Joint even = new Joint(48_000, 48_000, 960, Joint.Lies.VOWEL, 0, 0.5, -0.3, 2.26, -1.4, Joint.Breaths.KEPT, false, true);
        Joint louder = new Joint(48_000, 48_000, 960, Joint.Lies.VOWEL, 0, 0.5, 2.1, 1.6, -1.4, Joint.Breaths.KEPT, false, true);
        List<String> odd = new Joins(List.of(new SongFindings.PartJoint("lead", "a", even), new SongFindings.PartJoint("lead", "b", louder)), List.of(),
                48_000).odd();
        assertEquals("join of lead at a: there, in a vowel, fade 20 ms, level -0.3 dB, tone -1.4 dB; listen to it; a step in level of 2.3 dB inside the fade",
                odd.get(0));
        assertEquals("join of lead at b: there, in a vowel, fade 20 ms, level +2.1 dB, tone -1.4 dB; listen to it; a step in level", odd.get(1));
    }
}
