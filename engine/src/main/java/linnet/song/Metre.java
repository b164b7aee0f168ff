package linnet.song;

/** Beats in a bar, and the note that is a beat: 6 and 8 for six eighths. */
public record Metre(int beats, int unit) {
    /** As it is written: 6/8. */
    public String words() {
        return beats + "/" + unit;
    }

    /** Length of a beat in quarter notes. */
    double quarters() {
        return 4.0 / unit;
    }
}
