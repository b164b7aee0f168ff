package linnet.cli;

import java.util.OptionalDouble;
import linnet.setting.Unit;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Reads {@code 12.5}, {@code 12.5s}, {@code 800ms} or {@code 1:02.5} as seconds. */
final class Time implements ITypeConverter<Double> {
    @Override
    public Double convert(String text) {
        int colon = text.indexOf(':');
        OptionalDouble minutes = colon < 0 ? OptionalDouble.of(0) : Unit.PLAIN.parse(text.substring(0, colon));
        OptionalDouble seconds = Unit.SECONDS.parse(text.substring(colon + 1));
        if (minutes.isEmpty() || seconds.isEmpty() || minutes.getAsDouble() < 0 || seconds.getAsDouble() < 0) {
            throw new TypeConversionException("wants a time such as 12.5, 800ms or 1:02.5, not '" + text + "'");
        }
        return minutes.getAsDouble() * 60 + seconds.getAsDouble();
    }
}
