package linnet.render;

import java.io.IOException;
import java.util.Optional;
import linnet.dsp.Sound;
import linnet.hear.Memory;

/** Keeps no fact that was heard in a take which was changed meanwhile; sounds are looked after where they are finished. */
final class Sparing implements Shelf {
    private final Shelf shelf;
    private final SongRenderer.Take.Intact takes;

    Sparing(Shelf shelf, SongRenderer.Take.Intact takes) {
        this.shelf = shelf;
        this.takes = takes;
    }

    @Override
    public Optional<Sound> find(String signature) {
        return shelf.find(signature);
    }

    @Override
    public Place place(String signature, double rate, int channels) throws IOException {
        return shelf.place(signature, rate, channels);
    }

    @Override
    public Recollection recollection(String signature) {
        Recollection facts = shelf.recollection(signature);
        return new Recollection() {
            @Override
            public Memory memory() {
                return facts.memory();
            }

            @Override
            public void close() throws IOException {
                takes.check();
                facts.close();
            }
        };
    }
}
