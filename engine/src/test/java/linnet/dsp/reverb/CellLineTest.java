package linnet.dsp.reverb;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Random;
import linnet.dsp.Cell;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CellLineTest {
    @ParameterizedTest
    @ValueSource(ints = {1, 7, 479, 480, 481, 960, 1301})
    void givesWhatWentInItsLengthAgo(int length) {
        CellLine line = new CellLine(length);
        assertEquals(length, line.length());
        double[] x = new Random(length).doubles(10 * Cell.LENGTH).toArray();
        double[] y = new double[Cell.LENGTH];
        int step = Math.min(length, 77);
        for (int cell = 0; cell < 10; cell++) {
            for (int from = 0; from < Cell.LENGTH; from += step) {
                int to = Math.min(Cell.LENGTH, from + step);
                line.read(from, to);
                for (int i = from; i < to; i++) {
                    int then = cell * Cell.LENGTH + i - length;
                    assertEquals(then < 0 ? 0 : x[then], line.now[i], 0, "cell " + cell + " sample " + i);
                }
                System.arraycopy(x, cell * Cell.LENGTH + from, line.now, from, to - from);
                double energy = 0;
                for (int t = Math.max(0, cell * Cell.LENGTH + to - length); t < cell * Cell.LENGTH + to; t++) energy += x[t] * x[t];
                if (from % 11 == 0) assertEquals(energy, line.energy(to), 1e-9);
            }
            line.nextCell();
        }
    }

    @Test
    void whatHasDiedAwayIsZeroed() {
        CellLine line = new CellLine(900);
        line.now[5] = 1e-31;
        line.nextCell();
        line.now[7] = 0.5;
        assertFalse(line.settle());
        assertEquals(0.5, line.now[7]);
        line.now[7] = -0.9e-30;
        assertTrue(line.settle());
        assertEquals(0, line.energy(480));
    }

    @Test
    void silenceIsSilenceOnBothSides() {
        double[] nothing = new double[8], late = {0, 0, 0, 1e-300};
        assertTrue(Lines.silent(nothing, nothing, 8));
        assertTrue(Lines.silent(late, nothing, 3) && Lines.silent(nothing, late, 3));
        assertFalse(Lines.silent(late, nothing, 4) || Lines.silent(nothing, late, 4));
        double[] states = {1e-31, -1e-31, 2e-30};
        assertFalse(Lines.settle(states));
        assertArrayEquals(new double[] {0, 0, 2e-30}, states);
        assertFalse(Lines.settle(new double[][] {{1}, {0}}));
        assertTrue(Lines.settle(new double[] {0, 1e-31}));
    }

    /** An angle that belongs to time, whatever cells were filled. */
    @Test
    void aTurnGoesOnSteadily() {
        Turn turn = new Turn(8000, 3.1, 0.25);
        for (int cell = 0; cell < 40; cell++) {
            if (cell % 3 != 1) {
                turn.fill();
                for (int i = 0; i < Cell.LENGTH; i += 37) {
                    double angle = 2 * Math.PI * 3.1 / 8000 * (cell * Cell.LENGTH + i);
                    assertEquals(0.25 * Math.cos(angle), turn.cos[i], 1e-12);
                    assertEquals(0.25 * Math.sin(angle), turn.sin[i], 1e-12);
                }
            }
            turn.nextCell();
        }
    }
}
