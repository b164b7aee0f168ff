package linnet.demo;

/**
 * Where the take was made, and how hot.
 *
 * @param noiseDb RMS of the noise floor in dBFS
 * @param humHz mains frequency, or 0 for no hum; the hum lies 15 dB below the noise
 * @param resonanceHz a place where room and microphone ring, on everything the mouth does
 * @param resonanceDb how much it lifts
 * @param resonanceQ its sharpness: centre over bandwidth
 * @param proximityDb lift below 200 Hz when the singer leans in for the softest words
 * @param sungDb RMS of the take over its sung notes, dBFS
 */
public record Room(
        double noiseDb,
        double humHz,
        double resonanceHz,
        double resonanceDb,
        double resonanceQ,
        double proximityDb,
        double sungDb) {

    /** A small untreated room and a close microphone. */
    public static Room bedroom() {
        return new Room(-62, 50, 1300, 9, 6, 6, -18);
    }

    /** No colour and almost no noise. */
    public static Room dry() {
        return new Room(-110, 0, 1200, 0, 6, 0, -18);
    }

    /** The same room, with the singing at another level. */
    Room sung(double db) {
        return new Room(noiseDb, humHz, resonanceHz, resonanceDb, resonanceQ, proximityDb, db);
    }
}
