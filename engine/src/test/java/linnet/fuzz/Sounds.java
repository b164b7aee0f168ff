package linnet.fuzz;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import linnet.audio.Bext;
import linnet.audio.Label;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.SoundFileException;
import linnet.audio.WavFile;
import linnet.audio.WavHeader;
import linnet.audio.WavWriter;
import linnet.song.Guide;
import linnet.song.SongReader;
import linnet.step.builtin.Builtins;
import linnet.text.ProblemsException;

/** The readers of sound files and of what lies in them. */
final class Sounds {
    /** As the program reads the sections of a song from a file. */
    static final Guide CUES = file -> {
        try (WavFile wav = WavFile.open(file)) {
            return new Guide.Cues(Label.of(wav.header()).stream().map(l -> new Guide.Cue(l.text(), l.frame() / wav.rate())).toList(),
                    wav.frames() / wav.rate());
        }
    };

    private static final long MOST_BYTES = 16L << 20;
    private static final int BLOCK = 480, RATE = 48_000, FRAMES = 400;

    private Sounds() {}

    /** A whole file: its sound is read, and is the same on a float print. */
    static final class Wav implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            Path file = Files.write(folder.resolve("take.wav"), input);
            try (WavFile wav = WavFile.open(file)) {
                // Sizes are claims.
                assertTrue(wav.frames() * wav.channels() <= input.length, "more samples than bytes");
                double[][] x = sound(wav);
                wav.quickDigest();
                Label.of(wav.header()).forEach(l -> sane(l, wav.frames()));
                Bext.of(wav.header()).flatMap(Origin::of);
                if (thorough) printed(wav, x, folder);
            }
        }

        private static void printed(WavFile wav, double[][] x, Path folder) throws IOException {
            Path out = print(x, Print.of(wav.header().rate(), wav.channels(), SampleFormat.FLOAT_32).carrying(wav.header()), folder);
            try (WavFile again = WavFile.open(out)) {
                assertEquals(wav.frames(), again.frames());
                assertEquals(List.of(), again.header().remarks());
                double[][] y = sound(again);
                for (int c = 0; c < x.length; c++) for (int i = 0; i < x[c].length; i++) assertEquals((float) x[c][i], (float) y[c][i]);
                assertEquals(Label.of(wav.header()), Label.of(again.header()));
            }
        }

        @Override
        public long mostBytes() {
            return MOST_BYTES;
        }
    }

    /** The chunks {@code cue } and {@code LIST} of a sound file: two bytes for the length of the first, then both. */
    static final class Cue implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            int split = input.length < 2 ? 0 : Math.min((input[0] & 0xFF) | (input[1] & 0xFF) << 8, input.length - 2), from = Math.min(2, input.length);
            byte[] cue = Arrays.copyOfRange(input, from, from + split), list = Arrays.copyOfRange(input, from + split, input.length);
            Files.write(folder.resolve("guide.wav"), wav(chunk("cue ", cue), chunk("LIST", list)));
            try (WavFile wav = WavFile.open(folder.resolve("guide.wav"))) {
                List<Label> labels = Label.of(wav.header());
                for (int i = 0; i < labels.size(); i++) {
                    sane(labels.get(i), wav.frames());
                    assertTrue(i == 0 || labels.get(i - 1).frame() <= labels.get(i).frame());
                }
                if (thorough) {
                    Path out = print(sound(wav), Print.of(RATE, 1, SampleFormat.FLOAT_32).carrying(wav.header()), folder);
                    try (WavFile again = WavFile.open(out)) {
                        assertEquals(labels, Label.of(again.header()));
                    }
                    Path ours = print(sound(wav), Print.of(RATE, 1, SampleFormat.FLOAT_32).labelled(labels), folder);
                    try (WavFile again = WavFile.open(ours)) {
                        assertEquals(labels, Label.of(again.header()));
                    }
                }
            }
            Path song = folder.resolve("song.yaml");
            if (!Files.exists(song)) {
                Files.writeString(song, "song: x\ntempo: 120 bpm\nsections: { from: guide.wav }\nparts: { lead: { take: guide.wav } }\nprints: [ mix ]\n");
            }
            SongReader.read(song, Builtins.catalogue(), CUES);
        }

        @Override
        public long mostBytes() {
            return 2 * MOST_BYTES;
        }
    }

    /** The chunk {@code bext} of a sound file, and in its coding history what made it. */
    static final class Broadcast implements Reader {
        @Override
        public void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException {
            Files.write(folder.resolve("take.wav"), wav(chunk("bext", input)));
            try (WavFile wav = WavFile.open(folder.resolve("take.wav"))) {
                Optional<Bext> bext = Bext.of(wav.header());
                if (bext.isEmpty()) return;
                Optional<Origin> origin = Origin.of(bext.get());
                if (!thorough) return;
                double[][] x = sound(wav);
                Print form = Print.of(RATE, 1, SampleFormat.FLOAT_32);
                print(x, form.carrying(wav.header()), folder);
                // Written once, letters that ASCII has not are gone: from then on it stays as it is.
                Bext once = bext(print(x, form.described(bext.get()), folder)), twice = bext(print(x, form.described(once), folder));
                assertEquals(once, twice);
                if (origin.isEmpty()) return;
                Bext said = new Bext("", "", "", "", "", 0, Bext.Loudness.UNTOLD, origin.get().history(form));
                assertEquals(origin, Origin.of(bext(print(x, form.described(said), folder))));
            }
        }

        private static Bext bext(Path file) throws SoundFileException {
            try (WavFile wav = WavFile.open(file)) {
                return Bext.of(wav.header()).orElseThrow();
            }
        }

        @Override
        public long mostBytes() {
            return 2 * MOST_BYTES;
        }
    }

    private static void sane(Label label, long frames) {
        assertTrue(label.frame() >= 0 && label.frame() < frames);
        assertTrue(label.text().length() <= 120 && label.text().chars().noneMatch(Character::isISOControl), label::toString);
    }

    private static double[][] sound(WavFile wav) throws SoundFileException {
        double[][] all = new double[wav.channels()][(int) wav.frames()], block = new double[wav.channels()][BLOCK];
        try {
            for (int at = 0; at < all[0].length; at += BLOCK) {
                int n = Math.min(BLOCK, all[0].length - at);
                wav.read(at, block, n);
                for (int c = 0; c < all.length; c++) System.arraycopy(block[c], 0, all[c], at, n);
            }
            return all;
        } catch (UncheckedIOException e) {
            if (e.getCause() instanceof SoundFileException refused) throw refused;
            throw e;
        }
    }

    private static Path print(double[][] x, Print form, Path folder) throws SoundFileException {
        Path out = folder.resolve("print.wav");
        try (WavWriter writer = WavWriter.create(out, form.overwriting())) {
            for (int at = 0; at < x[0].length; at += BLOCK) {
                int from = at, n = Math.min(BLOCK, x[0].length - at);
                writer.write(Arrays.stream(x).map(c -> Arrays.copyOfRange(c, from, from + n)).toArray(double[][]::new), n);
            }
            if (form.bext() == null) writer.finish();
            else writer.finish(sums -> form.bext());
        }
        return out;
    }

    static byte[] chunk(String id, byte[] body) {
        return little(8 + body.length + body.length % 2).put(id.getBytes(StandardCharsets.US_ASCII)).putInt(body.length).put(body).array();
    }

    /** A short 16-bit sound with these chunks behind it. */
    static byte[] wav(byte[]... chunks) {
        byte[] fmt = little(16).putShort((short) 1).putShort((short) 1).putInt(RATE).putInt(2 * RATE).putShort((short) 2).putShort((short) 16).array();
        int more = Arrays.stream(chunks).mapToInt(c -> c.length).sum();
        ByteBuffer b = little(12 + 24 + 8 + 2 * FRAMES + more);
        b.put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(b.capacity() - 8).put("WAVE".getBytes(StandardCharsets.US_ASCII));
        b.put(chunk("fmt ", fmt)).put(chunk("data", new byte[2 * FRAMES]));
        for (byte[] c : chunks) b.put(c);
        return b.array();
    }

    static ByteBuffer little(int length) {
        return ByteBuffer.allocate(length).order(ByteOrder.LITTLE_ENDIAN);
    }
}
