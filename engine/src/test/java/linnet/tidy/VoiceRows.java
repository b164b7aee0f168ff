package linnet.tidy;

import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import linnet.Voices;
import linnet.audio.WavFile;
import linnet.dsp.Excerpt;
import linnet.dsp.Samples;

/** Stretches of the real voices, and what is labelled in them. */
final class VoiceRows {
    private VoiceRows() {}

    /** A phone as a person labelled it, in seconds. */
    record Phone(double from, double to, String name) {
        boolean vowel() {
            return "aiueo".contains(name);
        }
    }

    /** What lies before the beginning of the file is silent. */
    static Samples read(String file, double from, double to) throws Exception {
        try (WavFile wav = WavFile.open(Voices.file(file))) {
            double[][] x = new double[1][(int) ((to - from) * wav.rate())];
            new Excerpt(wav, (long) (from * wav.rate()), x[0].length).read(0, x, x[0].length);
            return new Samples(wav.rate(), x);
        }
    }

    static List<Phone> phones(String file) throws Exception {
        List<Phone> phones = new ArrayList<>();
        for (String line : Files.readAllLines(Voices.file(file)).stream().skip(1).toList()) {
            String[] cells = line.split(",");
            phones.add(new Phone(Double.parseDouble(cells[0]), Double.parseDouble(cells[1]), cells[2]));
        }
        return phones;
    }
}
