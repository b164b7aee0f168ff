package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** The parts of the example as music, and how far those who sing along are from the lead. */
class CastTest {
    private static final Set<Integer> D_MAJOR = Set.of(2, 4, 6, 7, 9, 11, 1);

    @Test
    void everyPartStaysInTheKey() {
        for (Cast.Take t : Cast.takes()) {
            for (Score.Phrase p : t.score().phrases()) {
                for (Score.Note n : p.notes()) assertTrue(D_MAJOR.contains((int) n.midi() % 12), t.name() + ", " + p.words() + ": " + n.midi());
            }
        }
    }

    @Test
    void harmoniesLieAboveAndBelowTheLead() {
        List<Score.Phrase> lead = choruses(SevenLanterns.whole());
        List<Score.Phrase> high = choruses(SevenLanterns.high());
        List<Score.Phrase> low = choruses(SevenLanterns.low());
        assertEquals(8, lead.size());
        assertEquals(8, high.size());
        for (int i = 0; i < lead.size(); i++) {
            for (int k = 0; k < lead.get(i).notes().size(); k++) {
                String where = lead.get(i).words() + ", note " + k;
                double above = high.get(i).notes().get(k).midi() - lead.get(i).notes().get(k).midi();
                double below = lead.get(i).notes().get(k).midi() - low.get(i).notes().get(k).midi();
                assertTrue(above >= 3 && above <= 5, where + ": " + above + " above");
                assertTrue(below >= 2 && below <= 5, where + ": " + below + " below");
            }
        }
    }

    @Test
    void theSecondChorusIsSungAnew() {
        List<Score.Phrase> lead = choruses(SevenLanterns.whole());
        for (int i = 0; i < 4; i++) {
            assertEquals(lead.get(i).words(), lead.get(i + 4).words());
            assertNotEquals(lead.get(i).notes(), lead.get(i + 4).notes());
        }
    }

    @Test
    void linesOfATakeLeaveRoomForABreath() {
        for (Cast.Take t : Cast.takes()) {
            double before = 0;
            for (Truth.Line l : new Diction(t.score(), t.singer()).lines) {
                assertTrue(l.start() - before > 0.25, t.name() + ": " + l.words() + " begins at " + l.start() + " after " + before);
                before = l.end();
            }
        }
    }

    @Test
    void theAdLibSingsWhereTheLeadDoesNot() {
        double chorus = 25 * 4 * SevenLanterns.adLib().secondsPerBeat();
        List<Truth.Line> lead = new Diction(SevenLanterns.whole(), Singer.high()).lines;
        for (Truth.Line a : new Diction(SevenLanterns.adLib(), Singer.high()).lines) {
            for (Truth.Line l : lead) {
                double over = Math.min(a.end() + chorus, l.end()) - Math.max(a.start() + chorus, l.start());
                assertTrue(over < 0.15, a.words() + " lies " + over + " s on " + l.words());
            }
        }
    }

    /** Far enough for something to be tidied, near enough that the ear takes them for one another's company. */
    @Test
    void whoSingsAlongIsALittleEarlyOrLateAndOff() {
        for (Cast.Take t : Cast.takes()) {
            if (!t.name().matches("(double|high|low)-.*")) continue;
            boolean whole = t.name().startsWith("double");
            List<Truth.Note> lead = new ArrayList<>();
            Diction sung = new Diction(SevenLanterns.whole(), Singer.high());
            for (int i = 0; i < sung.lines.size(); i++) {
                String section = sung.lines.get(i).section();
                if (section.startsWith("chorus") || whole && section.equals("verse 2")) lead.addAll(sung.notesOf(i));
            }
            List<Truth.Note> along = new Diction(t.score(), t.singer()).notes;
            assertEquals(lead.size(), along.size());
            double[] off = new double[lead.size()];
            double cents = 0;
            for (int k = 0; k < off.length; k++) {
                off[k] = Math.abs(along.get(k).start() - lead.get(k).start());
                cents = Math.max(cents, Math.abs(along.get(k).cents()));
            }
            Arrays.sort(off);
            assertTrue(off[off.length / 2] > 0.012 && off[off.length - 1] < 0.12,
                    t.name() + ": median " + off[off.length / 2] + ", most " + off[off.length - 1]);
            assertTrue(cents > 8 && cents <= 14, t.name() + ": " + cents + " cents");
        }
    }

    private static List<Score.Phrase> choruses(Score score) {
        return score.phrases().stream().filter(p -> p.section().startsWith("chorus")).toList();
    }
}
