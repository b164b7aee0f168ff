package linnet.fuzz;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.Voices;
import linnet.audio.Bext;
import linnet.audio.Origin;
import linnet.audio.Print;
import linnet.audio.SampleFormat;
import linnet.audio.WavWriter;
import linnet.step.Step;
import linnet.step.builtin.Builtins;

/** Inputs to begin with, and words to make others of: nothing of it need be kept, it is made from what the house has. */
final class Seeds {
    private static final Path RESOURCES = Voices.repository().resolve("engine/src/test/resources");
    private static final Path KEPT = RESOURCES.resolve("fuzz");
    private static final Pattern WORD =
            Pattern.compile("[A-Za-z#]+(-[a-z]+)*|\\d+(\\.\\d+)?( ?(dB|dBFS|dBTP|Hz|kHz|ms|s|%|cents|bpm|dB/oct))?|[{}\\[\\]:,&*|>!-]+");

    private Seeds() {}

    /** What was found once, by name. */
    static List<Path> kept(Target target) throws IOException {
        Path folder = KEPT.resolve(target.word());
        if (!Files.isDirectory(folder)) return List.of();
        try (Stream<Path> files = Files.list(folder)) {
            return files.sorted().toList();
        }
    }

    /** What is as it should be, what is known to be wrong, and what was found once. */
    static List<byte[]> all(Target target) throws IOException {
        List<byte[]> all = new ArrayList<>(switch (target) {
            case WAV -> sounds();
            case CUE -> List.of(cues(0), cues(1), cues(9));
            case BEXT -> extensions();
            case CHAIN -> texts(Voices.repository().resolve("chains"), RESOURCES.resolve("messages"));
            case SONG -> texts(Voices.repository().resolve("engine/src/main/resources/linnet/demo"), RESOURCES.resolve("songs"));
            case MARKS -> lists("marks");
            case NOTES -> lists("notes");
            case FACTS -> facts();
        });
        for (Path file : kept(target)) all.add(Files.readAllBytes(file));
        all.removeIf(seed -> seed.length > Target.LARGEST);
        return all;
    }

    private static List<byte[]> texts(Path... folders) throws IOException {
        List<byte[]> all = new ArrayList<>();
        for (Path folder : folders) {
            try (Stream<Path> files = Files.list(folder)) {
                for (Path file : files.filter(f -> f.toString().endsWith(".yaml")).sorted().toList()) all.add(Files.readAllBytes(file));
            }
        }
        return all;
    }

    /** Of each form none, and one of nothing. */
    private static List<byte[]> facts() {
        List<byte[]> all = new ArrayList<>();
        for (int form = 0; form < Facts.FORMS.size(); form++) {
            all.add(new byte[] {(byte) form, 0, 0, 0, 0});
            all.add(ByteBuffer.allocate(160).put((byte) form).putInt(1).array());
        }
        return all;
    }

    private static List<byte[]> lists(String noun) throws IOException {
        List<byte[]> all = new ArrayList<>(texts(RESOURCES.resolve(noun)));
        String head = noun + ": take.wav\nrate: 48000 Hz\nframes: 480000\nsound: \"0a1b2c3d\"\n";
        String rows = noun.equals("marks")
                ? "list:\n  - { breath: 0.5 s, length: 331 ms, sure: 82 % }\n  - { keep: 2 s, length: 1 s }\n"
                        + "  - { sibilant: 4.1 s, length: 60 ms, keep: yes, word: \"salt, on\" }\n  - { vowel: 4.3 s }\n"
                : "reference: 442 Hz\nlist:\n  - { note: 0.5 s, length: 620 ms, heard: F#4 -23 cents, target: F#4, vibrato: 5.6 Hz 42 cents, scoop: -60 "
                        + "cents, sure: 82 % }\n  - { note: 2 s, length: 1 s, heard: Bb3, target: leave }\n";
        all.add((head + rows).getBytes(StandardCharsets.UTF_8));
        all.add((head + "list: []\n").getBytes(StandardCharsets.UTF_8));
        return all;
    }

    /** Written by our own writer in every form, and such as it does not write. */
    private static List<byte[]> sounds() throws IOException {
        List<byte[]> all = new ArrayList<>();
        Path file = Files.createTempFile("seed", ".wav");
        try {
            double[][] x = new double[2][48];
            for (int i = 0; i < x[0].length; i++) x[1][i] = -(x[0][i] = 0.5 * Math.sin(0.3 * i));
            for (SampleFormat format : List.of(SampleFormat.INT_16, SampleFormat.INT_24, SampleFormat.FLOAT_32)) {
                for (int channels = 1; channels <= 2; channels++) {
                    Print form = Print.of(44_100 + 3900 * (channels - 1), channels, format).overwriting();
                    if (format == SampleFormat.INT_24) form = form.described(extension(form));
                    Bext bext = form.bext();
                    try (WavWriter writer = WavWriter.create(file, form)) {
                        writer.write(x, x[0].length);
                        if (bext == null) writer.finish();
                        else writer.finish(sums -> bext);
                    }
                    all.add(Files.readAllBytes(file));
                }
            }
        } finally {
            Files.deleteIfExists(file);
        }
        byte[] cue = cues(2), first = Arrays.copyOfRange(cue, 2, 2 + cue[0]), list = Arrays.copyOfRange(cue, 2 + cue[0], cue.length);
        all.add(Sounds.wav(Sounds.chunk("cue ", first), Sounds.chunk("LIST", list)));
        byte[] wide = Sounds.wav(), ds64 = Sounds.chunk("ds64", Sounds.little(28).putLong(wide.length + 28).putLong(800).putLong(400).putInt(0).array());
        ByteBuffer rf64 = Sounds.little(wide.length + ds64.length).put("RF64".getBytes(StandardCharsets.US_ASCII)).putInt(-1).put(wide, 8, 4).put(ds64)
                .put(wide, 12, wide.length - 12);
        all.add(rf64.putInt(12 + ds64.length + 24 + 4, -1).array());
        all.add(extensible());
        return all;
    }

    private static byte[] extensible() {
        byte[] guid = {3, 0, 0, 0, 0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71};
        byte[] fmt = Sounds.little(40).putShort((short) 0xFFFE).putShort((short) 1).putInt(48_000).putInt(8 * 48_000).putShort((short) 8).putShort((short) 64)
                .putShort((short) 22).putShort((short) 64).putInt(4).put(guid).array();
        byte[] data = Sounds.little(80).putDouble(0, 0.25).putDouble(8, -1).array();
        byte[] chunks = Sounds.little(48 + 88).put(Sounds.chunk("fmt ", fmt)).put(Sounds.chunk("data", data)).array();
        return Sounds.little(12 + chunks.length).put("RIFF".getBytes(StandardCharsets.US_ASCII)).putInt(4 + chunks.length)
                .put("WAVE".getBytes(StandardCharsets.US_ASCII)).put(chunks).array();
    }

    /** The length of a cue chunk, that chunk and a LIST of labels. */
    private static byte[] cues(int n) {
        ByteBuffer cue = Sounds.little(4 + 24 * n).putInt(n);
        ByteArrayOutputStream list = new ByteArrayOutputStream();
        list.writeBytes("adtl".getBytes(StandardCharsets.US_ASCII));
        for (int i = 0; i < n; i++) {
            cue.putInt(i + 1).putInt(40 * i).put("data".getBytes(StandardCharsets.US_ASCII)).putInt(0).putInt(0).putInt(40 * i);
            byte[] text = ("verse " + i + "\0").getBytes(StandardCharsets.UTF_8);
            list.writeBytes(Sounds.chunk(i % 3 == 2 ? "note" : "labl", Sounds.little(4 + text.length).putInt(i + 1).put(text).array()));
        }
        return Sounds.little(2 + cue.capacity() + list.size()).putShort((short) cue.capacity()).put(cue.array()).put(list.toByteArray()).array();
    }

    private static List<byte[]> extensions() throws IOException {
        List<byte[]> all = new ArrayList<>();
        all.add(new byte[602]);
        all.add(new byte[700]);
        // As it stands in a print, behind RIFF, the room for ds64 and fmt, or wherever it is.
        for (byte[] sound : sounds()) {
            String text = new String(sound, StandardCharsets.ISO_8859_1);
            int at = text.indexOf("bext");
            if (at < 0) continue;
            int length = ByteBuffer.wrap(sound).order(java.nio.ByteOrder.LITTLE_ENDIAN).getInt(at + 4);
            all.add(Arrays.copyOfRange(sound, at + 8, at + 8 + length));
        }
        return all;
    }

    private static Bext extension(Print form) {
        Origin origin = Origin.of("0.1.0 abc", "mix", 2, 48_000, "0123456789abcdef",
                List.of(new Origin.Source(Origin.Kind.TEXT, "00ff", "../song.yaml"), new Origin.Source(Origin.Kind.TAKE, "11ee", "../a, b %.wav")));
        return new Bext("a song: mix", "0.1.0", "0123", "2026-01-02", "03:04:05", 480, new Bext.Loudness(-14, 5.5, -1, -11, -12), origin.history(form));
    }

    /** What texts are made of, as the fuzzing library takes it: every word of a seed and of the catalogue, and what is odd in YAML or RIFF. */
    static List<String> dictionary(Target target) throws IOException {
        Set<String> words = new TreeSet<>();
        if (target == Target.FACTS) {
            words.addAll(List.of("\0\0\0\1", "\0\0\0\2", "\377\377\377\377", "\177\377\377\377", "\177\370\0\0\0\0\0\0", "voice"));
        } else if (target == Target.WAV || target == Target.CUE || target == Target.BEXT) {
            words.addAll(List.of("RIFF", "RF64", "BW64", "WAVE", "fmt ", "data", "ds64", "bext", "cue ", "LIST", "adtl", "labl", "note", "ltxt", "INFO",
                    "T=linnet ", "engine ", "print ",
                    "revision ", "signature ", "sound ", "text ", "take ", "list ", "\r\n", "%", "%2", "%FF", "\377\377\377\377", "\0\0\0\0",
                            "\376\377", "\177"));
        } else {
            for (byte[] seed : all(target)) {
                Matcher m = WORD.matcher(new String(seed, StandardCharsets.UTF_8).replaceAll("#.*", ""));
                while (m.find()) if (m.group().length() <= 24) words.add(m.group());
            }
            if (target == Target.CHAIN || target == Target.SONG) {
                for (Step s : Builtins.catalogue().steps()) {
                    words.add(s.word());
                    s.settings().all().forEach(x -> words.add(x.name() + ": "));
                }
                words.add("other.yaml");
            }
            words.addAll(List.of("&a ", "*a", "<<: ", "!!str ", "!!binary ", "? ", "- ", ": ", "|\n", ">-\n", "%YAML 1.2\n", "---\n", "...\n", "\"\\u0000\"",
                    "\"\\uD800\"", "\"\\u2028\"", "\"\\L\"", "\\N", "\\uD83D", "names: ", "{song}", "{print}", "\\x85", "\u0085", "\u2028", "\u202E",
                    "\uFEFF", "\t",
                    "null", "~", "1e999", "-0", "0x7fffffff", "9999999999999999999", "NaN", "..", "/", "{}", "[]", "[ [ [ [ [ [ [ [", "guide.wav", "over",
                            "under", "x lowest note"));
        }
        return words.stream().map(Seeds::quoted).toList();
    }

    private static String quoted(String word) {
        StringBuilder s = new StringBuilder("\"");
        boolean bytes = word.chars().allMatch(c -> c < 256);
        for (byte b : word.getBytes(bytes && word.chars().anyMatch(c -> c == 0xFF || c == 0xFE) ? StandardCharsets.ISO_8859_1 : StandardCharsets.UTF_8)) {
            if (b >= ' ' && b <= '~' && b != '"' && b != '\\') s.append((char) b);
            else s.append(String.format("\\x%02X", b & 0xFF));
        }
        return s.append('"').toString();
    }
}
