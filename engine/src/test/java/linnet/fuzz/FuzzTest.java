package linnet.fuzz;

import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.DynamicTest.dynamicTest;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Whatever becomes of its bytes, what reads reads or refuses. The long runs are those of {@code engine/fuzz/run}; what they found is kept in {@code fuzz/}. */
class FuzzTest {
    private static final int TRIES = 300;
    private static final byte[] TELLING = {0, 1, 0x7F, (byte) 0x80, (byte) 0xFE, (byte) 0xFF, '{', '[', '"', '*', '&', ':', '-', '\n', '9'};

    @TempDir
    Path folder;

    @TestFactory
    List<DynamicTest> whatWasFoundOnceIsMended() throws IOException {
        List<DynamicTest> all = new ArrayList<>();
        for (Target target : Target.values()) {
            for (Path kept : Seeds.kept(target)) {
                all.add(dynamicTest(target.word() + "/" + kept.getFileName(), () -> target.check(Files.readAllBytes(kept), folder, true)));
            }
        }
        return all;
    }

    @ParameterizedTest
    @EnumSource(Target.class)
    void seedsAndWhatChanceMakesOfThemAreReadOrRefused(Target target) throws IOException {
        List<byte[]> seeds = Seeds.all(target);
        assertFalse(seeds.isEmpty());
        for (byte[] seed : seeds) target.check(seed, folder, true);
        Random random = new Random(7);
        for (int i = 0; i < TRIES; i++) target.check(changed(seeds, random), folder, i % 4 == 0);
    }

    private static byte[] changed(List<byte[]> seeds, Random random) {
        byte[] one = seeds.get(random.nextInt(seeds.size())).clone();
        for (int n = 1 + random.nextInt(4); n > 0; n--) {
            if (one.length == 0) return one;
            int at = random.nextInt(one.length);
            switch (random.nextInt(5)) {
                case 0 -> one[at] = (byte) random.nextInt(256);
                case 1 -> one[at] = TELLING[random.nextInt(TELLING.length)];
                case 2 -> one = Arrays.copyOf(one, at);
                case 3 -> one = spliced(one, at, seeds.get(random.nextInt(seeds.size())), random);
                default -> {
                    byte[] less = Arrays.copyOf(one, one.length - 1);
                    System.arraycopy(one, at + 1, less, at, less.length - at);
                    one = less;
                }
            }
        }
        return one;
    }

    /** The beginning of one before the end of another. */
    private static byte[] spliced(byte[] one, int at, byte[] other, Random random) {
        int from = random.nextInt(other.length + 1);
        byte[] both = Arrays.copyOf(one, at + other.length - from);
        System.arraycopy(other, from, both, at, other.length - from);
        return both;
    }
}
