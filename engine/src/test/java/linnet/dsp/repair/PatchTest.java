package linnet.dsp.repair;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import org.junit.jupiter.api.Test;

class PatchTest {
    private static final Patch[] PATCHES = {new Patch(2, new double[][] {{7, 8, 9}}), new Patch(6, new double[][] {{5}})};

    @Test
    void takesThePlaceOfWhatItCovers() {
        double[] x = new double[8];
        Patch.over(PATCHES, 0, new double[][] {x}, 8);
        assertArrayEquals(new double[] {0, 0, 7, 8, 9, 0, 5, 0}, x);
    }

    @Test
    void anyCutGivesTheSame() {
        double[] x = new double[8], one = new double[1];
        for (int i = 0; i < 8; i++) {
            one[0] = 0;
            Patch.over(PATCHES, i, new double[][] {one}, 1);
            x[i] = one[0];
        }
        assertArrayEquals(new double[] {0, 0, 7, 8, 9, 0, 5, 0}, x);
    }
}
