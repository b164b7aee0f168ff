package linnet.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import linnet.audio.WavFile;
import linnet.render.SideBySide;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.yaml.snakeyaml.Yaml;

class DemoTest {
    private static final int BARS = 34;

    /** Two at once; what comes of it does not depend on that. */
    @Test
    void writesAWholeSongAndWhatIsTrueOfIt(@TempDir Path folder) throws Exception {
        Path chain = Files.writeString(folder.resolve("even.yaml"), "chain: even\n");
        Path demo = folder.resolve("demo");
        List<Callable<Void>> pieces = new ArrayList<>();
        for (Demo.Piece p : Demo.pieces(demo, List.of(chain))) {
            pieces.add(() -> {
                p.write();
                return null;
            });
        }
        SideBySide.run(pieces, 2);

        double[] lead = read(demo.resolve("lead.wav"))[0];
        assertEquals(BARS * 2.4 * Demo.RATE, lead.length, 1);
        double[][] bed = read(demo.resolve("bed.wav"));
        assertEquals(lead.length, bed[0].length);
        double peak = 0;
        double apart = 0;
        for (int i = 0; i < lead.length; i++) {
            peak = Math.max(peak, Math.max(Math.abs(bed[0][i]), Math.abs(bed[1][i])));
            apart = Math.max(apart, Math.abs(bed[0][i] - bed[1][i]));
        }
        assertEquals(-7, 20 * Math.log10(peak), 0.1);
        assertTrue(apart > 0.05, "the bed is as good as mono");
        for (String side : List.of("left", "right")) {
            assertTrue(likeness(read(demo.resolve("double-" + side + ".wav"))[0], lead) < 0.9, side + " is a copy of the lead");
        }

        Map<String, Object> truth = new Yaml().load(Files.readString(demo.resolve("truth/lead.yaml")));
        assertEquals("Seven Lanterns", truth.get("title"));
        assertEquals(16, ((List<?>) truth.get("phrases")).size());
        assertEquals(122, ((List<?>) truth.get("notes")).size());
        assertTrue(Files.readString(demo.resolve("README.md")).contains("Start playback low"));
        assertArrayEquals(Files.readAllBytes(chain), Files.readAllBytes(demo.resolve("chains/even.yaml")));
        for (Cast.Take t : Cast.takes()) assertTrue(Files.exists(demo.resolve("truth/" + t.name() + ".pitch.csv")), t.name());

        Cast.Take last = Cast.takes().get(Cast.takes().size() - 1);
        double[] again = last.sing().samples();
        double[] written = read(demo.resolve(last.name() + ".wav"))[0];
        for (int i = 0; i < again.length; i++) assertEquals(again[i], written[i], 0x1p-22, "sample " + i);
    }

    /** Each file of the guide is one that is written, and the other way round. */
    @Test
    void theGuideNamesEveryTake() throws Exception {
        String guide;
        try (InputStream in = Demo.class.getResourceAsStream("guide.md")) {
            guide = new String(in.readAllBytes(), StandardCharsets.UTF_8);
        }
        Set<String> named = new TreeSet<>();
        Matcher m = Pattern.compile("`([a-z0-9-]+)\\.wav`").matcher(guide);
        while (m.find()) named.add(m.group(1));
        Set<String> written = new TreeSet<>(Set.of("bed"));
        Cast.takes().forEach(t -> written.add(t.name()));
        assertEquals(written, named);
    }

    private static double[][] read(Path file) throws IOException {
        try (WavFile wav = WavFile.open(file)) {
            assertEquals(Demo.RATE, wav.rate());
            double[][] x = new double[wav.channels()][(int) wav.frames()];
            wav.read(0, x, x[0].length);
            return x;
        }
    }

    private static double likeness(double[] x, double[] y) {
        double same = 0, own = 0;
        for (int i = 0; i < y.length; i++) {
            same += x[i] * y[i];
            own += y[i] * y[i];
        }
        return Math.abs(same / own);
    }
}
