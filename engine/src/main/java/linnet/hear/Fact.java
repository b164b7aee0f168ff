package linnet.hear;

import java.util.List;
import java.util.function.Function;

/**
 * One fact of a take, declared once: {@link #ALL} is the list that tables and JSON are made from.
 *
 * @param key in JSON; ends in the unit
 * @param words for a reader
 * @param unit for a reader; empty for a spectrum or a list that no single figure stands for
 * @param decimals that mean something
 * @param method how it is measured
 * @param measure a Double, {@link Bands}, or a list of {@link Resonance} or {@link Event}
 */
public record Fact(String key, String words, String unit, int decimals, String method, Function<Facts, Measured<?>> measure) {
    public static final List<Fact> ALL = List.of(
            new Fact("integrated_lufs", "loudness, integrated", "LUFS", 1, "ITU-R BS.1770-5, gated.", f -> f.meters().integrated()),
            new Fact("momentary_max_lufs", "loudest 400 ms", "LUFS", 1, "EBU Tech 3341, momentary.", f -> f.meters().momentaryMax()),
            new Fact("short_term_max_lufs", "loudest 3 s", "LUFS", 1, "EBU Tech 3341, short-term.", f -> f.meters().shortTermMax()),
            new Fact("loudness_range_lu", "loudness range", "LU", 1, "EBU Tech 3342.", f -> f.meters().loudnessRange()),
            new Fact("true_peak_dbtp", "true peak", "dBTP", 1, "ITU-R BS.1770-5, Annex 2.", f -> f.meters().truePeak()),
            new Fact("sample_peak_dbfs", "largest sample", "dBFS", 1, "The largest of all channels.", f -> f.meters().samplePeak()),
            new Fact("crest_db", "crest", "dB", 1, "Largest sample over the RMS of the channel that has the most.", f -> f.meters().crest()),
            new Fact("correlation", "correlation left, right", "", 2, "At zero lag, offset left out: 1 is mono, below 0 a sum to mono loses.",
                    f -> f.meters().correlation()),
            new Fact("noise_floor_dbfs", "noise floor", "dBFS", 1,
                    "Noise above 100 Hz and rumble together.",
                    Facts::noiseFloor),
            new Fact("noise_above_100_hz_dbfs", "noise above 100 Hz", "dBFS", 1,
                    "RMS of the quietest twentieth of all 50 ms behind a high-pass at 100 Hz of 24 dB/oct: what 'over noise' in a chain means.",
                    f -> f.ear().noise()),
            new Fact("rumble_dbfs", "rumble below 100 Hz", "dBFS", 1,
                    "Power below 100 Hz, offset left out, in all 50 ms that lie less than 3 dB over the noise above 100 Hz.",
                    Facts::rumble),
            new Fact("noise_third_octaves_dbfs", "spectrum of the noise", "", 1,
                    "Third-octave levels (IEC 61260-1) of the pauses, from Hann windows of about 43 ms.",
                    Facts::noiseBands),
            new Fact("hum_hz", "hum, mains", "Hz", 2,
                    "What the step hum takes away that is told nothing: 50 or 60 Hz within 0.4, whose harmonics, summed in phase over stretches of 8 s, quiet "
                            + "moments most, stand out of noise.",
                    f -> f.hum().map(Hum::hz)),
            new Fact("hum_dbfs", "hum, all harmonics", "dBFS", 1, "RMS of its harmonics together, without the noise under them.",
                    f -> f.hum().map(Hum::dbfs)),
            new Fact("hum_harmonics_dbfs", "hum, each harmonic", "dBFS", 1, "Of each that stands out.", f -> f.hum().map(Hum::harmonics)),
            new Fact("voice_dbfs", "voice, while it sings", "dBFS", 1,
                    "RMS of the sung frames that have a pitch.",
                    f -> f.ear().voice()),
            new Fact("voice_third_octaves_dbfs", "spectrum of the voice", "", 1,
                    "Third-octave levels (IEC 61260-1) of the sung frames that have a pitch, from Hann windows of about 43 ms.",
                    Facts::voiceBands),
            new Fact("lowest_note_hz", "lowest note", "Hz", 1,
                    "One sung frame in forty with a pitch steady for 40 ms is lower.",
                    f -> f.ear().lowestNote()),
            new Fact("median_pitch_hz", "middle of the pitch", "Hz", 1,
                    "Half of the sung frames with a steady pitch are lower.",
                    f -> f.ear().medianPitch()),
            new Fact("highest_note_hz", "highest note", "Hz", 1,
                    "One sung frame in forty with a steady pitch is higher.",
                    f -> f.ear().highestNote()),
            new Fact("over_a440_cents", "notes over A at 440 Hz", "cents", 0,
                    "Mean of how far certain notes lie from the nearest semitone, by how long they are sung; where most of the time lies within 20 cents of "
                            + "one tuning.",
                    Facts::overA440),
            new Fact("resonances", "resonances", "", 1,
                    "Up to four narrow places between 200 Hz and 2 kHz where the harmonics stand out of the voice's own spectrum smoothed over an octave.",
                    Facts::resonances),
            new Fact("sibilance_hz", "sibilants, centre", "Hz", 0,
                    "Mean of the logarithm of frequency between 3 and 12 kHz, weighted by power, over the frames without pitch that are 3 dB stronger there "
                            + "than below.",
                    f -> f.ear().sibilance()),
            new Fact("sibilance_over_voice_db", "sibilants over the voice", "dB", 1,
                    "Mean level of these frames between 3 and 12 kHz beside the level of the voice.",
                    f -> f.ear().sibilanceStrength()),
            new Fact("sibilants", "sibilants", "", 0,
                    "40 ms or more that are stronger above 3.2 kHz than from 700 Hz to there, less than 31 dB under the voice.",
                    Facts::sibilants),
            new Fact("breaths_per_minute", "breaths per minute", "", 1, "How many there are, by the length of the take.", f -> f.perMinute(f.breaths())),
            new Fact("breaths", "breaths", "", 0,
                    "120 ms to 2 s of noise without pitch outside the phrases, 6 dB over the noise, 15 dB under the voice, with body, middle and hiss.",
                    Facts::breaths),
            new Fact("clicks_per_minute", "clicks per minute", "", 1, "How many there are, by the length of the take.", f -> f.perMinute(f.clicks())),
            new Fact("clicks", "clicks", "", 0,
                    "What a voice could not have foretold (residual of linear prediction, 48 kHz or less): 7 dB over its cycles in a vowel, 9 dB in a pause; "
                            + "less than 27 dB under the voice. Before a line also what is alone for 20 ms above 3 kHz.",
                    Facts::clicks),
            new Fact("silence_start_s", "silence at the start", "s", 2, "Until 50 ms rise 6 dB over the noise above 100 Hz.", Facts::silenceAtStart),
            new Fact("silence_end_s", "silence at the end", "s", 2, "From the last 50 ms that do.", Facts::silenceAtEnd),
            new Fact("clipped_runs", "clipped runs", "runs", 0,
                    "Three samples or more in a row at one value within 1 % of the peak, entered or left in a corner.",
                    Facts::clipped),
            new Fact("dc_percent", "offset (DC)", "% of full scale", 3,
                    "Mean of all samples, of the channel that is farthest off centre.",
                    Facts::offset));
}
