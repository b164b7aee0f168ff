package linnet.render;

import java.util.ArrayList;
import java.util.List;
import linnet.plan.SongPlan;
import linnet.plan.Work;
import linnet.tidy.Aims;

/** By what is known again whatever a song has: its takes and what is put together from them, its works, its mixes and its prints. */
final class Signatures {
    private final SongPlan plan;
    private final String engine;
    /** Of each take, with all that is told of it. */
    private final List<String> takes;
    /** Of what each work makes, by id. */
    private final List<List<String>> made = new ArrayList<>();

    /** @param engine what renders: another version may make other samples */
    Signatures(SongPlan plan, List<SongRenderer.Take> takes, String engine) {
        this.plan = plan;
        this.engine = engine;
        this.takes = takes.stream().map(SongRenderer.Take::whole).toList();
        // What a work hears comes before it.
        for (Work w : plan.works()) made.add(ofSounds(w));
    }

    /** The signatures of the sounds that a work of the plan makes. */
    List<String> made(Work work) {
        return made.get(work.id());
    }

    private List<String> ofSounds(Work work) {
        StringBuilder text = ofInput(work);
        Signature.chain(work.chain(), work.chain().nodes().size(), text);
        if (work.shares().isEmpty()) return List.of(Signature.digest(text.toString()));
        List<String> all = new ArrayList<>();
        for (List<Work.Tap> share : work.shares()) {
            StringBuilder one = new StringBuilder(text).append("share\n");
            taps(share, one);
            all.add(Signature.digest(one.toString()));
        }
        return all;
    }

    /** The signature of what goes into the chain of a work. */
    String input(Work work) {
        return Signature.digest(ofInput(work).toString());
    }

    /** The signature of what a work makes, for what is told of how its chain is set. */
    String advice(Work work) {
        return Signature.digest(made(work).get(0) + " advice");
    }

    private StringBuilder ofInput(Work work) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(plan.rate()).append(' ').append(work.channels())
                .append(work.played() ? " played\n" : "\n");
        taps(work.input(), text);
        work.tidying().ifPresent(t -> {
            aims(t.aims(), text.append("tidied"));
            for (Work.Stretch s : t.except()) text.append(" except ").append(s.from()).append(' ').append(s.to());
            text.append(" like ").append(t.channels()).append('\n');
            taps(t.lead(), text);
        });
        return text;
    }

    private static void aims(Aims aims, StringBuilder text) {
        // What is not aimed at is no number.
        text.append(" timing ").append(aims.timing().orElse(Double.NaN)).append(" reach ").append(aims.reach()).append(" stretch ").append(aims.stretch());
        text.append(" breaths ").append(aims.breaths()).append(" consonants ").append(aims.consonants().orElse(Double.NaN)).append(" ends ")
                .append(aims.ends());
        if (aims.level() instanceof Aims.Level.Lead l) text.append(" as lead ").append(l.otherWords());
        if (aims.level() instanceof Aims.Level.At a) text.append(" at ").append(a.dbfs());
    }

    /** The signature of a take, for what is remembered of it. */
    String take(int take) {
        return Signature.digest(engine + '\n' + plan.rate() + " take " + takes.get(take));
    }

    /** The signature of what goes into a work from one place, for what is remembered of how that is put together. */
    String source(Work.Source source) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(plan.rate()).append(" source ");
        source(source, text);
        return Signature.digest(text.toString());
    }

    /** The signature of what the chain of a mix goes by, for what is heard in it. */
    String heard(SongPlan.Bus bus) {
        StringBuilder text = new StringBuilder(engine).append('\n').append(plan.rate()).append(" heard\n");
        taps(bus.heard(), text);
        return Signature.digest(text.toString());
    }

    /**
     * The signature of what the length of all prints comes from, which need not be heard in any of them: the form of the song, all that is made, and what the
     * buses do to it.
     */
    String length() {
        StringBuilder text = new StringBuilder(engine).append('\n').append(plan.rate()).append(" length ").append(plan.least()).append('\n');
        for (int w : plan.wanted()) text.append("work ").append(made.get(w)).append('\n');
        for (SongPlan.Bus bus : plan.buses()) {
            taps(bus.input(), text.append("bus\n"));
            taps(bus.heard(), text.append("heard\n"));
            Signature.chain(bus.chain(), bus.chain().nodes().size(), text);
        }
        return Signature.digest(text.toString());
    }

    /** The signature of a print: of its samples, as far as they are known before the length of all prints is. */
    String print(SongPlan.SongPrint print) {
        SongPlan.Bus bus = plan.buses().get(print.bus());
        StringBuilder text = new StringBuilder("print ").append(plan.rate()).append(' ').append(print.channels()).append(' ').append(print.from()).append(' ')
                .append(print.to()).append('\n');
        taps(print.sum(), text);
        if (print.whole() || bus.hears()) taps(bus.input(), text.append(print.whole() ? "whole\n" : "of\n"));
        if (bus.hears() && !bus.heard().equals(bus.input())) taps(bus.heard(), text.append("heard\n"));
        Signature.chain(bus.chain(), bus.chain().nodes().size(), text);
        return Signature.digest(text.toString());
    }

    private void taps(List<Work.Tap> taps, StringBuilder text) {
        for (Work.Tap t : taps) {
            source(t.source(), text);
            course(text.append(t.pan().sides() ? " turned" : " pan"), t.pan().place());
            course(text.append(" level"), t.level());
            text.append('\n');
        }
    }

    private void source(Work.Source source, StringBuilder text) {
        if (source instanceof Work.Source.Take k) {
            text.append("take ").append(takes.get(k.take())).append(" at ").append(k.at()).append(k.flipped() ? " flipped" : "");
        } else if (source instanceof Work.Source.Made m) {
            text.append("work ").append(made.get(m.work()).get(m.share()));
        } else if (source instanceof Work.Source.Edited e) {
            text.append("edited").append(e.flipped() ? " flipped" : "");
            for (int i = 0; i < e.pieces().size(); i++) {
                text.append("\n ");
                source(e.pieces().get(i).of(), text);
                text.append(" later ").append(e.pieces().get(i).later());
                if (e.pieces().get(i).into() != 0) text.append(" into ").append(e.pieces().get(i).into());
                // Where the text has it makes no sound.
                if (i < e.borders().size()) {
                    text.append(" until ").append(e.borders().get(i).at()).append(" reach ").append(e.borders().get(i).reach()).append(" fade ")
                            .append(e.borders().get(i).fade());
                }
            }
            course(text.append(" level"), e.level());
            for (Work.Muted m : e.muted()) {
                text.append(" muted ").append(m.kind()).append(' ').append(m.from()).append(' ').append(m.to()).append(' ').append(m.fade());
            }
        } else {
            text.append("silence");
        }
    }

    private static void course(StringBuilder text, Work.Course course) {
        course.points().forEach(p -> text.append(' ').append(p.at()).append('=').append(p.value()));
    }
}
