package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Song after song in one process: memory, open files and threads stay as they are. {@code engine/faults/soak} runs as many as one likes, and as many
 * processes.
 */
class SoakTest {
    private static final int RATE = 48_000;
    /** Rounds in which classes are loaded and code is compiled. */
    private static final int WARM = 4;
    /** What may come and go between two looks: code, and what the collector has not given back. */
    private static final double HEAP_MB = 2;

    @TempDir
    Path folder;

    /** What a process holds at a moment, after the collector has run. A number that a system does not tell is -1. */
    private record Held(int songs, double heapMb, double residentMb, int files, int threads) {
        static Held now(int songs) throws Exception {
            // What is let go of closes its file only after it was collected.
            for (int i = 0; i < 3; i++) {
                System.gc();
                System.runFinalization();
                Thread.sleep(20);
            }
            Runtime r = Runtime.getRuntime();
            return new Held(songs, (r.totalMemory() - r.freeMemory()) / 1e6, resident(), openFiles(), Thread.activeCount());
        }

        private static double resident() throws IOException {
            Path status = Path.of("/proc/self/status");
            if (!Files.exists(status)) return -1;
            return Files.readAllLines(status).stream().filter(l -> l.startsWith("VmRSS:"))
                    .mapToDouble(l -> Double.parseDouble(l.replaceAll("[^0-9]", "")) / 1000).findFirst().orElse(-1);
        }

        private static int openFiles() throws IOException {
            Path open = Path.of("/proc/self/fd");
            if (!Files.isDirectory(open)) return -1;
            try (Stream<Path> all = Files.list(open)) {
                return (int) all.count();
            }
        }

        String row() {
            return String.format(Locale.ROOT, "| %d | %.1f | %.0f | %d | %d |", songs, heapMb, residentMb, files, threads);
        }
    }

    @Test
    void tenSongsLeaveNothingBehind() throws Exception {
        List<Held> held = songs(10, 1);
        Held first = held.get(WARM), last = held.get(held.size() - 1);
        // What tests before this one left behind may still go.
        assertTrue(last.files <= first.files, "open files: " + held);
        assertTrue(last.threads <= first.threads, "threads: " + held);
        assertTrue(last.heapMb - first.heapMb < HEAP_MB, "heap: " + held);
    }

    /** {@code -Dsoak.songs=200}. Its table goes to the output. */
    @Test
    @Tag("bench")
    void asManyAsAsked() throws Exception {
        int n = Integer.getInteger("soak.songs", 200);
        List<Held> held = songs(n, Math.max(1, n / 10));
        System.out.println("| songs | heap, MB | resident, MB | open files | threads |\n|---|---|---|---|---|");
        held.forEach(h -> System.out.println(h.row()));
        Held first = held.get(1), last = held.get(held.size() - 1);
        assertEquals(first.files, last.files, "open files");
        assertEquals(first.threads, last.threads, "threads");
        assertTrue(last.heapMb - first.heapMb < HEAP_MB, "heap: " + first + " to " + last);
    }

    /** Renders songs, each another, and looks each so many. */
    private List<Held> songs(int n, int every) throws Exception {
        List<Held> held = new ArrayList<>(List.of(Held.now(0)));
        for (int k = 1; k <= n; k++) {
            Path own = Files.createDirectories(folder.resolve("song " + k));
            Path song = write(own, k);
            StringWriter said = new StringWriter();
            picocli.CommandLine line = Main.commandLine();
            line.setOut(new PrintWriter(said));
            line.setErr(new PrintWriter(said));
            assertEquals(0, line.execute("render", song.toString(), "--out", own.resolve("prints").toString()), said.toString());
            try (Stream<Path> prints = Files.list(own.resolve("prints"))) {
                // Five prints, the sheet in two forms and their checksums.
                assertEquals(8, prints.count());
            }
            delete(own);
            if (k % every == 0) held.add(Held.now(k));
        }
        return held;
    }

    /** Two parts, a group, a return and a move, of half a second; no two are alike. */
    static Path write(Path folder, int k) throws IOException {
        for (int take = 0; take < 2; take++) {
            double[][] x = new double[1][RATE / 2];
            double hz = 110 + 3 * k + 70 * take;
            for (int i = 0; i < x[0].length; i++) {
                for (int h = 1; h < 6; h++) x[0][i] += 0.1 / h * Math.sin(2 * Math.PI * hz * h * i / RATE) * Math.sin(Math.PI * i / x[0].length);
            }
            try (WavWriter writer = WavWriter.create(folder.resolve("take-" + take + ".wav"), Print.of(RATE, 1, SampleFormat.INT_24))) {
                writer.write(x, x[0].length);
                writer.finish();
            }
        }
        return Files.writeString(folder.resolve("song.yaml"), """
                song: soak %d
                tempo: 240 bpm
                sections: { a: 1, b: 2, end: 3 }
                parts:
                  one: { take: take-0.wav, chain: [ gate: { threshold: -50 dB }, compressor: { aim: 3 dB } ], level: %.1f dB, sends: { room: -12 dB } }
                  two: { take: take-1.wav, chain: [ compressor: { aim: 3 dB }, eq: [ { high-pass: 100 Hz } ] ], level: -12 dB, pan: 40 %% left, sends: { room: -12 dB } }
                returns:
                  room: { chain: [ reverb: { decay: 0.4 s } ] }
                moves:
                  b: { one: -2 dB }
                mix: { chain: [ limit ] }
                checks: { accept: [ tails, mono ] }
                prints: [ mix, vocals, one, two, room ]
                """.formatted(k, -8 - 0.1 * (k % 40)));
    }

    private static void delete(Path folder) throws IOException {
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path p : all.sorted(Comparator.reverseOrder()).toList()) Files.delete(p);
        }
    }
}
