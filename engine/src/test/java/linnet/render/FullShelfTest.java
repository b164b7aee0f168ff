package linnet.render;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.hear.Told;
import linnet.list.Take;
import linnet.plan.SongPlan;
import linnet.plan.SongPlanner;
import linnet.plan.Work;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.store.Store;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A store that is full while several threads share out what a group's chain makes costs the next render its time, and this one nothing. */
@Timeout(120)
class FullShelfTest {
    private static final String SONG = SongRig.HEAD + """
            parts:
              one: { take: one.wav }
              two: { take: two.wav, pan: 40 % left }
              three: { take: three.wav, pan: 40 % right }
            groups:
              all: { parts: [ one, two, three ], chain: [ compressor: { aim: 3 dB } ] }
            prints: [ mix, stems, mix without one, mix without two, mix without three ]
            """;

    @TempDir
    Path folder;

    /** Takes so many samples of each of some sounds, and no more. */
    private record Full(Store store, List<String> which, int most) implements Shelf {
        @Override
        public Optional<Sound> find(String signature) {
            return store.find(signature);
        }

        @Override
        public Recollection recollection(String signature) {
            return store.recollection(signature);
        }

        @Override
        public Place place(String signature, double rate, int channels) throws IOException {
            Place there = store.place(signature, rate, channels);
            if (!which.contains(signature)) return there;
            return new Place() {
                private long written;

                @Override
                public void write(double[][] x, int n) throws IOException {
                    written += n;
                    if (written > most) throw new IOException("it is full");
                    there.write(x, n);
                }

                @Override
                public Sound finish() throws IOException {
                    return there.finish();
                }

                @Override
                public void close() throws IOException {
                    there.close();
                }
            };
        }
    }

    private Optional<String> unkept;

    private Map<String, double[][]> render(String store, int jobs, int which, int most) throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, SONG);
        List<SongRenderer.Take> takes = new ArrayList<>();
        for (int k = 0; k < 3; k++) {
            Sound sung = SongRig.sung(k, 4, 0.1);
            takes.add(new SongRenderer.Take(sung, Told.nothing(), Take.of("", sung).sound()));
        }
        SongPlan plan = SongPlanner.plan(SongReader.read(file, Builtins.catalogue()), SongRig.RATE, List.of(1, 1, 1));
        Work shared = plan.works().stream().filter(w -> w.shares().size() > 1 && plan.wanted().contains(w.id())).findFirst().orElseThrow();
        List<String> full = which < 0 ? List.of() : List.of(new Signatures(plan, takes, "test").made(shared).get(which));
        Map<String, double[][]> prints = new LinkedHashMap<>();
        try (SongRenderer renderer = new SongRenderer(plan, takes, "test", new Full(new Store(folder.resolve(store), 1 << 30), full, most), new Sums(), jobs)) {
            renderer.render((print, frames) -> {
                double[][] whole = new double[print.channels()][(int) frames];
                prints.put(print.name(), whole);
                int[] at = {0};
                return List.of((x, n) -> {
                    for (int c = 0; c < whole.length; c++) System.arraycopy(x[c], 0, whole[c], at[0], n);
                    at[0] += n;
                });
            });
            unkept = renderer.unkept();
        }
        return prints;
    }

    /** What is told of a song is told whether it can be remembered or not. */
    @Test
    void whatIsFoundOddIsToldAllTheSame() throws Exception {
        Path file = folder.resolve("song.yaml");
        Files.writeString(file, SongRig.HEAD + "parts:\n  one: { take: one.wav, chain: [ tune ] }\nprints: [ mix ]\n");
        Sound sung = SongRig.sung(1, 4, 0.1);
        SongPlan plan = SongPlanner.plan(SongReader.read(file, Builtins.catalogue()), SongRig.RATE, List.of(1));
        Shelf forgetful = new Sparing(new Store(folder.resolve("store"), 1 << 30), () -> {
            throw new IOException("it is full");
        });
        try (SongRenderer renderer = new SongRenderer(plan, List.of(new SongRenderer.Take(sung, Told.nothing(), Take.of("", sung).sound())), "test", forgetful,
                new Sums(), 1)) {
            assertEquals(List.of(), renderer.findings().odd(true));
            assertEquals(Optional.of("it is full"), renderer.unkept());
        }
    }

    @Test
    void itCostsThisRenderNothing() throws Exception {
        Map<String, double[][]> whole = render("whole", 1, -1, 0);
        assertTrue(unkept.isEmpty());
        for (int which = 0; which < 2; which++) {
            for (int most : new int[] {0, 30_000, 100_000}) {
                String store = which + " of " + most;
                Map<String, double[][]> full = render(store, 2, which, most);
                assertEquals(Optional.of("it is full"), unkept);
                whole.forEach((name, x) -> {
                    for (int c = 0; c < x.length; c++) assertArrayEquals(x[c], full.get(name)[c], name);
                });
                try (var files = Files.list(folder.resolve(store))) {
                    assertFalse(files.anyMatch(f -> f.toString().endsWith(".part")));
                }
            }
        }
    }
}
