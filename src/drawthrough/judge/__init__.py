"""The only room with opinions: a Visit in, a Judgement out."""

from drawthrough.judge.engine import judge as judge
from drawthrough.judge.judgement import Judgement as Judgement
